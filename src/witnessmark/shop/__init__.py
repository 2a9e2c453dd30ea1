"""The school's settings, clock, calendar, bays, instruments, library."""
