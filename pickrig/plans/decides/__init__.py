"""Which of our numbers the verdicts hang on."""
