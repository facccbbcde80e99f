"""The things a person can ask for. Command line and web call only these; the rules live here."""
