"""What happened: one row for each decision to send a machine or not, kept in one file beside the fleet."""
