//! Fixtures and near-equality, for tests only.
