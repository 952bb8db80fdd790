"""What the sheets of a site say, as tables of typed cells without any format; CSV, XLSX and console all take them from here."""
