"""When a layer is ready: clocks from the sheet's own points at the night's temperatures."""
