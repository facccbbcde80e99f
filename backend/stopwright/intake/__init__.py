"""Files people bring, read into the model: part lists, job files, shop files."""
