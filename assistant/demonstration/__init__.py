"""A demonstration session: invented, recorded once with a synthetic voice, heard for real."""
