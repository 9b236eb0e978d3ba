"""Which machine for one job."""
