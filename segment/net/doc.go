// Package net runs the small convolutional network that tells tiles from gaps.
// It takes a picture (sRGB-encoded red, green and blue planes, 0…1), and what else
// is known of it (Input), and gives the tile coverage of each pixel, 0 (gap) … 1 (tile): the share of the pixel
// that stays visible of the tiles once the gaps are filled. Package segment
// calls it and makes regions, borders and widths of the answer.
//
// # Where the weights come from
//
// weights.f32 and layers.json were trained on procedural pictures only: layouts,
// drawn and in the end path-traced, whose coverage is known exactly. No photograph and no weights of
// another network went in. The recipe is in segment/train; batch normalisation
// is folded into the convolutions when the two files are written. Any network
// of the same family can replace them, with other channel counts (multiples of
// 4, at least 8), blocks per level or levels: Parse reads them from the list.
//
// # Architecture
//
// An encoder-decoder of depthwise-separable residual blocks:
//
//	picture, (v-0.5)·4, and the evidence that is given
//	stem     3×3, stride 2                       24 planes, 1/2 size
//	enc0     block, 3 residual blocks            24 planes, 1/2 size
//	enc1     block stride 2, 3 residual blocks   40 planes, 1/4
//	enc2     block stride 2, 4 residual blocks   72 planes, 1/8
//	enc3     block stride 2, 7 residual blocks  128 planes, 1/16
//	then for i = 2, 1, 0:
//	         x = relu(enc_i + nearest(lateral_i(x)))   lateral is pointwise
//	dec_i    3 residual blocks
//	head     3×3 to 4 planes, the four pixels of each 2×2 square; sigmoid
//
// A block is relu(pointwise(relu(depthwise 3×3))); a residual block adds its
// input, with no ReLU after the sum. Layers pad with zeros, that is mid-grey.
// A picture whose size is no multiple of 16 is continued by repeating its last
// row and column, and the result cropped: padding with grey instead moves more
// pixels along the border across one half. The network that ships has 213,884
// weights and takes 3,920 multiply-adds per picture pixel.
//
// # How it runs
//
// Each block works in place, a few rows at a time: the depthwise layer fills a
// tile that fits the cache, the pointwise layer reads it and overwrites the
// rows. All levels of the encoder stay in memory until the decoder has used
// them, 40 bytes per picture pixel; nothing else of that size is held.
//
// There are two sets of inner loops. Plain Go runs everywhere. On amd64 with
// AVX2 and FMA, found out at run time, assembly does the same about six times
// faster. The build tag purego leaves the assembly out.
//
// # Same input, same bits
//
// On one machine and build the result is the same to the last bit for any
// number of threads, because the arithmetic of a pixel depends on its place
// alone. Between plain Go, assembly and other processors the last bits differ
// (a fused multiply-add rounds once, not twice), at most 1e-5 of coverage;
// anything compared across machines needs a tolerance or the tag purego on one
// processor family.
package net
