"""Which machine to which of many jobs."""
