//go:build !unix

package wholefile

// cantSync: such systems sync no folders at all.
func cantSync(error) bool { return true }
