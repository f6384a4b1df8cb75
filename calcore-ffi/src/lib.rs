//! C ABI of calcore.
