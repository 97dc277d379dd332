//! Every sentence a person reads, by key.
