//! One pond, one hour: shape and physics.
