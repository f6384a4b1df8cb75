//! Section "loop calibration": a run from its JSON description to its result, as JSON and number by number.

pub mod attribution;
pub mod element;
pub mod records;
pub mod result;
pub mod text_handle;

pub mod run;
pub mod text;

pub mod figures;

pub mod proposals;

pub mod plan;

pub mod many;

pub mod import;

pub mod calibration;

pub mod record;

pub mod schema;

pub mod compare;

pub mod history;

pub mod trace;
