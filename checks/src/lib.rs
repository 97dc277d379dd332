//! Published and independent values, each with its source, and the short runners that use them.
