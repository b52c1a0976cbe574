// Package barcode encodes linear and matrix symbols and turns them into draw
// items: pure bars and modules first, then paths whose modules are whole
// device pixels.
//
// EAN, UPC and ITF come from a well-kept library. Code 128, QR Code and Data
// Matrix are our own encoders, for three reasons: the library counts bytes past
// 127 wrongly in Data Matrix, it has no function character in QR Code and never
// mixes modes or code sets as well as it could, and it takes a hundred times as
// long for a QR Code (1.4 ms against 14 microseconds for a web address), which
// is a fifth of the time that the press gives a label.
//
// A symbol is no proof: print it, let it dry, and have it graded on the press,
// the ink and the material of the job (ISO/IEC 15416 for bars, 15415 for
// matrices).
package barcode
