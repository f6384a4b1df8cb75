//! Section "linearization": how straight a link is, what a choice of curve costs, and curves in a form that fits in firmware.

pub mod measured;

pub mod cycles;

pub mod choice;

pub mod numbers;

pub mod table;

pub mod minimax;

pub mod export;
