"""ICC profiles, colour spaces and CIELAB."""
