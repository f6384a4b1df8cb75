//! Section "tolerance": the classes of the standards, and limits that are combined from them.

pub mod classes;

pub mod limits;
