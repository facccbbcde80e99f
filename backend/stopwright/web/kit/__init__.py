"""What all pages are made with."""
