"""Material data sheets and methods, as data: what they must say, how they are loaded, and what they can answer."""
