"""At the machines and the bench: runs, boards, pieces, glue."""
