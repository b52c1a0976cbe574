// Package labels proves a run of variable data: that register, journal, ledgers,
// data and pages say the same. Pages are drawn by PDFium, or symbols at a glance by
// impose/verify/glimpse, and read by a decoder that shares no code with the encoders;
// what they should say is put together here once more, from the values in the register.
package labels
