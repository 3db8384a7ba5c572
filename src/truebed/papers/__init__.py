"""Results to PDF, XLSX and iCalendar."""
