"""Every figure that plans are made with, and where it comes from."""
