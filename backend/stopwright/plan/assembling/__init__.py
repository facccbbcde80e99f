"""From pieces to units: numbers and places, stages of the glue-up, pieces made again."""
