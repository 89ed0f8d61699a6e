"""From operations to steps: areas, paths, order, tabs, layout on the stock, holding and time."""
