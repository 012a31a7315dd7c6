package privacy

// Disclosures is the table, for tests.
func Disclosures() map[Kind]map[Capacity]Disclosure { return disclosures() }
