//! Tests on the code itself.
