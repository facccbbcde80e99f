"""What is printed: labels, run sheets, master pieces, glue-up sheets."""
