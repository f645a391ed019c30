"""Where the record is kept: journal, finding, backup, the printed record. Knows nothing of screens."""
