//! What people write down: ponds, stockings, readings, prices; and the rules they obey.
