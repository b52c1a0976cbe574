// Package gs1 knows the GS1 application identifiers: what each value may be,
// which identifiers need or exclude each other, how element strings stand in a
// symbol, and how a Digital Link is written. It knows no symbols and no
// records.
//
// The table is made from the GS1 Barcode Syntax Dictionary (GS1 AISBL, as of
// July 2026). What the dictionary leaves to lists that others keep (currencies,
// package types, company prefixes) is checked for its form only; see checks.
package gs1
