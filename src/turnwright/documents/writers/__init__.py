"""One report, several forms: HTML, PDF, plain structure for tests; workbook and CSV for schedules."""
