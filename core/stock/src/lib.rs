//! The animals: growth, survival, cold dose, size classes.
