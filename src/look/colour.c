#include "look/colour.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include <lcms2.h>

#include "base/alloc.h"
#include "data/observer.h"

static const cmsCIEXYZ d65 = {THAW_D65_X, THAW_D65_Y, THAW_D65_Z};

/* Derived from the primaries and white of IEC 61966-2-1. */
static const double from_xyz[3][3] = {{3.240970, -1.537383, -0.498611},
                                      {-0.969244, 1.875968, 0.041555},
                                      {0.055630, -0.203977, 1.056972}};
static const double to_xyz[3][3] = {
    {0.412391, 0.357584, 0.180481}, {0.212639, 0.715169, 0.072192}, {0.019331, 0.119195, 0.950532}};

double thaw_colour_encode(double linear)
{
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1.0 / 2.4) - 0.055;
}

double thaw_colour_decode(double encoded)
{
    return encoded <= 0.04045 ? encoded / 12.92 : pow((encoded + 0.055) / 1.055, 2.4);
}

thaw_status thaw_encoder_create(thaw_encoder **out, thaw_error *err)
{
    thaw_encoder *encoder = thaw_allocate(1, sizeof *encoder, err);
    if (!encoder) {
        return THAW_ERR_MEMORY;
    }
    for (int i = 0; i <= THAW_ENCODE_STEPS; i++) {
        double linear = (double)i / THAW_ENCODE_STEPS;
        encoder->code[i] = (uint8_t)(255.0 * thaw_colour_encode(linear) + 0.5);
    }
    *out = encoder;
    return THAW_OK;
}

void thaw_encoder_destroy(thaw_encoder *encoder)
{
    thaw_release(encoder);
}

static void multiply(const double m[3][3], const double v[3], double out[3])
{
    for (int i = 0; i < 3; i++) {
        out[i] = m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2];
    }
}

void thaw_colour_linear(const double xyz[3], double rgb[3])
{
    multiply(from_xyz, xyz, rgb);
}

void thaw_colour_xyz(const double rgb[3], double xyz[3])
{
    multiply(to_xyz, rgb, xyz);
}

void thaw_colour_fit(double rgb[3])
{
    bool inside = true;
    for (int i = 0; i < 3; i++) {
        inside = inside && rgb[i] >= 0.0 && rgb[i] <= 1.0;
    }
    if (inside) {
        return;
    }
    double grey = to_xyz[1][0] * rgb[0] + to_xyz[1][1] * rgb[1] + to_xyz[1][2] * rgb[2];
    grey = fmin(fmax(grey, 0.0), 1.0);
    double keep = 1.0;
    for (int i = 0; i < 3; i++) {
        if (rgb[i] < 0.0) {
            keep = fmin(keep, grey / (grey - rgb[i]));
        } else if (rgb[i] > 1.0) {
            keep = fmin(keep, (1.0 - grey) / (rgb[i] - grey));
        }
    }
    for (int i = 0; i < 3; i++) {
        rgb[i] = fmin(fmax(grey + keep * (rgb[i] - grey), 0.0), 1.0);
    }
}

void thaw_colour_bytes(const thaw_encoder *encoder, const double rgb[3], uint8_t out[3])
{
    for (int i = 0; i < 3; i++) {
        out[i] = encoder->code[(int)(rgb[i] * THAW_ENCODE_STEPS + 0.5)];
    }
}

void thaw_colour_lab(const double xyz[3], double lab[3])
{
    cmsCIEXYZ in = {xyz[0], xyz[1], xyz[2]};
    cmsCIELab out;
    cmsXYZ2Lab(&d65, &out, &in);
    lab[0] = out.L;
    lab[1] = out.a;
    lab[2] = out.b;
}

double thaw_colour_difference(const double lab[3], const double other[3])
{
    cmsCIELab a = {lab[0], lab[1], lab[2]}, b = {other[0], other[1], other[2]};
    return cmsCIE2000DeltaE(&a, &b, 1.0, 1.0, 1.0);
}

void thaw_colour_from_lab(const double lab[3], double xyz[3])
{
    cmsCIELab in = {lab[0], lab[1], lab[2]};
    cmsCIEXYZ out;
    cmsLab2XYZ(&d65, &out, &in);
    xyz[0] = out.X;
    xyz[1] = out.Y;
    xyz[2] = out.Z;
}

void thaw_colour_lab_bytes(const double lab[3], uint8_t out[3])
{
    double xyz[3], rgb[3];
    thaw_colour_from_lab(lab, xyz);
    thaw_colour_linear(xyz, rgb);
    thaw_colour_fit(rgb);
    for (int i = 0; i < 3; i++) {
        out[i] = (uint8_t)(255.0 * thaw_colour_encode(rgb[i]) + 0.5);
    }
}
