"""What happened to one vehicle, and the questions asked of it. Pure; knows nothing of files or screens."""
