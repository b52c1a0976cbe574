// Package barcode encodes linear and matrix symbols and turns them into draw
// items: pure bars and modules first, then paths whose modules are whole
// device pixels.
//
// EAN, UPC and ITF come from a well-kept library. Code 128, QR Code and Data
// Matrix are our own encoders, for three reasons: the library counts bytes past
// 127 wrongly in Data Matrix, has no function character in QR Code and never
// mixes its modes, and its QR Code takes a thousand times as long as a press
// that prints hundreds of labels a second can wait for.
//
// A symbol is no proof: print it, let it dry, and have it graded on the press,
// the ink and the material of the job (ISO/IEC 15416 for bars, 15415 for
// matrices).
package barcode
