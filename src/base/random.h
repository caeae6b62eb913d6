/* Counter-based random numbers (Random123 Philox4x32-10): value = f(seed, stream, index).
 * No state, so any order of drawing and any number of threads gives the same values. */
#ifndef THAW_BASE_RANDOM_H
#define THAW_BASE_RANDOM_H

#include <stdint.h>

/* One stream for each thing that chance decides, so that changing one leaves the others alone. */
typedef enum thaw_stream {
    THAW_STREAM_CLOTH = 1, /* unevenness of the cloth */
    THAW_STREAM_FOLD = 2,  /* waviness of folds, hands at a scrunch */
    THAW_STREAM_ICE_SIZE = 3,
    THAW_STREAM_ICE_PLACE = 4,
    THAW_STREAM_DRIP = 5,
    THAW_STREAM_SPRINKLE = 6,
    THAW_STREAM_CONTACT = 7,
    THAW_STREAM_EXIT = 8,
    THAW_STREAM_PALETTE = 9,  /* starts of k-means; no seed of a scenario goes into it */
    THAW_STREAM_UNKNOWN = 20, /* what nobody knows, between the members of a set */
    THAW_STREAM_MEMBER = 21,  /* seeds of the members */
    THAW_STREAM_LAY = 30,     /* trying places for pattern pieces; 31 .. 61: further tries */
    THAW_STREAM_TEST = 99
} thaw_stream;

/* Four uniform doubles in the open interval (0, 1). */
void thaw_random_uniform4(uint64_t seed, uint32_t stream, uint64_t index, double out[4]);
/* The first of the four. */
double thaw_random_uniform(uint64_t seed, uint32_t stream, uint64_t index);
/* Two independent standard normals (Box-Muller). */
void thaw_random_normal2(uint64_t seed, uint32_t stream, uint64_t index, double out[2]);
double thaw_random_normal(uint64_t seed, uint32_t stream, uint64_t index);

#endif
