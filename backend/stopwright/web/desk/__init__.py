"""The pages at the desk: lists, joints, things, wood, run sheet, shop."""
