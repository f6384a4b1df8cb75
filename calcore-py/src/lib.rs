//! Python module of calcore.
