"""Programs written from the worksheets by tests/tools/write_worksheet.py; a test keeps them fresh."""
