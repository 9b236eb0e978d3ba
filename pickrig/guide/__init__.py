"""Asking someone who does not write files: the questions, and the job file their answers make."""
