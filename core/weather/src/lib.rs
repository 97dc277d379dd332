//! Station and forecast text to hours; gaps; sun; members of the coming weather.
