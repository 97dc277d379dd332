//! Which dates: worth, limits, rival plans under the same draws, certainty.
