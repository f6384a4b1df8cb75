//! Section "settling": whether a temperature is steady enough to count, for how long still not, and what it was at a moment.

pub mod steady;

pub mod settled;

pub mod record;
