#include "base/random.h"

#include <math.h>

#include <Random123/philox.h>

#define TWO_PI 6.283185307179586

void thaw_random_uniform4(uint64_t seed, uint32_t stream, uint64_t index, double out[4])
{
    philox4x32_ctr_t counter = {{(uint32_t)index, (uint32_t)(index >> 32), stream, 0u}};
    philox4x32_key_t key = {{(uint32_t)seed, (uint32_t)(seed >> 32)}};
    philox4x32_ctr_t bits = philox4x32(counter, key);
    for (int i = 0; i < 4; i++) {
        out[i] = ((double)bits.v[i] + 0.5) * 0x1p-32;
    }
}

double thaw_random_uniform(uint64_t seed, uint32_t stream, uint64_t index)
{
    double u[4];
    thaw_random_uniform4(seed, stream, index, u);
    return u[0];
}

void thaw_random_normal2(uint64_t seed, uint32_t stream, uint64_t index, double out[2])
{
    double u[4];
    thaw_random_uniform4(seed, stream, index, u);
    double radius = sqrt(-2.0 * log(u[0]));
    out[0] = radius * cos(TWO_PI * u[1]);
    out[1] = radius * sin(TWO_PI * u[1]);
}

double thaw_random_normal(uint64_t seed, uint32_t stream, uint64_t index)
{
    double z[2];
    thaw_random_normal2(seed, stream, index, z);
    return z[0];
}
