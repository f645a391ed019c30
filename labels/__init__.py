"""Code to text to picture to printer. Knows nothing of jobs."""
