"""From what queries return to the shapes of the contract. Nothing here decides anything."""
