"""The memory of a driveline technician: what came off, and what must be confirmed before it goes back on the road."""
