"""An invented institute: every name, place and number in it is made up."""
