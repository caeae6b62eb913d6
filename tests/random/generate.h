/* Scenarios made up from a seed: every part of the format, on a cloth of few cells. */
#ifndef THAW_TESTS_GENERATE_H
#define THAW_TESTS_GENERATE_H

#include <stddef.h>
#include <stdint.h>

#define GENERATED_MOST 16384

/* A scenario that keeps to what the pages say; the same text for the same seed. */
void generate(uint64_t seed, char text[GENERATED_MOST]);
/* The same with some of it spoilt. Returns its length: NULs may be inside. */
size_t generate_spoilt(uint64_t seed, char text[GENERATED_MOST]);

#endif
