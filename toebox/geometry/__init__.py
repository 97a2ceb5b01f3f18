"""Pure geometry in metres and radians: the documentation of the mathematics."""
