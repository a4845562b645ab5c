"""What belongs to one reader: record, hand-in, settings, the open workbook."""
