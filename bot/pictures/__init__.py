"""What is drawn or printed: pictures (PNG), sheets (PDF), calendars (iCalendar) and tables (CSV), from values to bytes."""
