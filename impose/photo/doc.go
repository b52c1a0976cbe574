// Package photo turns PNG and JPEG files into pages of one PDF, so that they are
// read, judged and placed as artwork is. JPEG data go into the page as they are;
// PNG data are decoded and stored without loss, to eight bits a component. A
// profile that a file carries goes along.
//
// The libraries that embed pictures refuse PNG of 16 bits and interlaced ones, or
// ask readers to smooth what is small, which a press must not do.
package photo
