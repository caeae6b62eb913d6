#ifndef THAW_BENCH_SHEET_VECTOR_H
#define THAW_BENCH_SHEET_VECTOR_H

#include <sundials/sundials_nvector.h>

/* Give a serial vector, and what is cloned from it, kernels compiled here. */
void sheet_vector_kernels(N_Vector v);

#endif
