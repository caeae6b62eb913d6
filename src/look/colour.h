/* From tristimulus values to sRGB pixels and L*a*b*. XYZ is relative: Y = 1 for the perfect white
 * under D65. Linear light is sRGB without its curve, 0 .. 1 inside the gamut. */
#ifndef THAW_LOOK_COLOUR_H
#define THAW_LOOK_COLOUR_H

#include <stdint.h>

#include "thawprint/status.h"

#define THAW_ENCODE_STEPS 65536

/* Table from linear light to the 8-bit sRGB value: within rounding of the curve. */
typedef struct thaw_encoder {
    uint8_t code[THAW_ENCODE_STEPS + 1];
} thaw_encoder;

/* The caller destroys the encoder; NULL is allowed there. */
thaw_status thaw_encoder_create(thaw_encoder **out, thaw_error *err);
void thaw_encoder_destroy(thaw_encoder *encoder);

/* The curve of IEC 61966-2-1 and its inverse, both 0 .. 1. */
double thaw_colour_encode(double linear);
double thaw_colour_decode(double encoded);

/* XYZ to linear light and back (IEC 61966-2-1 primaries); may leave 0 .. 1. */
void thaw_colour_linear(const double xyz[3], double rgb[3]);
void thaw_colour_xyz(const double rgb[3], double xyz[3]);
/* Bring linear light into the gamut: mix with the grey of equal luminance until nothing is below 0
 * or above 1. Keeps luminance and dominant wavelength, gives up chroma only. */
void thaw_colour_fit(double rgb[3]);
/* Linear light inside the gamut to three bytes. */
void thaw_colour_bytes(const thaw_encoder *encoder, const double rgb[3], uint8_t out[3]);

/* CIE L*a*b* under D65 and back, by Little CMS. */
void thaw_colour_lab(const double xyz[3], double lab[3]);
void thaw_colour_from_lab(const double lab[3], double xyz[3]);
/* CIEDE2000 between two L*a*b* colours, by Little CMS. */
double thaw_colour_difference(const double lab[3], const double other[3]);
/* A single L*a*b* colour as sRGB bytes, fitted into the gamut. */
void thaw_colour_lab_bytes(const double lab[3], uint8_t out[3]);

#endif
