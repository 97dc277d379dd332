//! The harvest plan page in words.
