"""Arithmetic of the trade. Pure functions and frozen dataclasses; knows nothing of jobs, files or screens."""
