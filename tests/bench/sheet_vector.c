/* Vector kernels for CVODE, compiled with our flags: those of a packaged library are built for any machine. They
 * take the place of the serial vector's, whose data they use; more threads share the loops. */
#include "sheet_vector.h"

#include <math.h>
#include <nvector/nvector_serial.h>

#define EACH _Pragma("omp parallel for schedule(static)") for (sunindextype i = 0; i < n; i++)
#define SUM _Pragma("omp parallel for simd schedule(static) reduction(+ : sum)") for (sunindextype i = 0; i < n; i++)

static void linear_sum(realtype a, N_Vector vx, realtype b, N_Vector vy, N_Vector vz)
{
    const sunindextype n = NV_LENGTH_S(vx);
    const realtype *x = NV_DATA_S(vx), *y = NV_DATA_S(vy);
    realtype *z = NV_DATA_S(vz);
    EACH z[i] = a * x[i] + b * y[i];
}

static void set_const(realtype c, N_Vector vz)
{
    const sunindextype n = NV_LENGTH_S(vz);
    realtype *z = NV_DATA_S(vz);
    EACH z[i] = c;
}

static void prod(N_Vector vx, N_Vector vy, N_Vector vz)
{
    const sunindextype n = NV_LENGTH_S(vx);
    const realtype *x = NV_DATA_S(vx), *y = NV_DATA_S(vy);
    realtype *z = NV_DATA_S(vz);
    EACH z[i] = x[i] * y[i];
}

static void divide(N_Vector vx, N_Vector vy, N_Vector vz)
{
    const sunindextype n = NV_LENGTH_S(vx);
    const realtype *x = NV_DATA_S(vx), *y = NV_DATA_S(vy);
    realtype *z = NV_DATA_S(vz);
    EACH z[i] = x[i] / y[i];
}

static void scale(realtype c, N_Vector vx, N_Vector vz)
{
    const sunindextype n = NV_LENGTH_S(vx);
    const realtype *x = NV_DATA_S(vx);
    realtype *z = NV_DATA_S(vz);
    EACH z[i] = c * x[i];
}

static void absolute(N_Vector vx, N_Vector vz)
{
    const sunindextype n = NV_LENGTH_S(vx);
    const realtype *x = NV_DATA_S(vx);
    realtype *z = NV_DATA_S(vz);
    EACH z[i] = fabs(x[i]);
}

static void invert(N_Vector vx, N_Vector vz)
{
    const sunindextype n = NV_LENGTH_S(vx);
    const realtype *x = NV_DATA_S(vx);
    realtype *z = NV_DATA_S(vz);
    EACH z[i] = 1.0 / x[i];
}

static void add_const(N_Vector vx, realtype b, N_Vector vz)
{
    const sunindextype n = NV_LENGTH_S(vx);
    const realtype *x = NV_DATA_S(vx);
    realtype *z = NV_DATA_S(vz);
    EACH z[i] = x[i] + b;
}

static realtype dot(N_Vector vx, N_Vector vy)
{
    const sunindextype n = NV_LENGTH_S(vx);
    const realtype *x = NV_DATA_S(vx), *y = NV_DATA_S(vy);
    realtype sum = 0.0;
    SUM sum += x[i] * y[i];
    return sum;
}

static realtype wrms(N_Vector vx, N_Vector vw)
{
    const sunindextype n = NV_LENGTH_S(vx);
    const realtype *x = NV_DATA_S(vx), *w = NV_DATA_S(vw);
    realtype sum = 0.0;
    SUM sum += (x[i] * w[i]) * (x[i] * w[i]);
    return sqrt(sum / (realtype)n);
}

/* z = sum of c x over m vectors, two at a time. */
static int combine(int m, realtype *c, N_Vector *x, N_Vector z)
{
    if (m == 1) {
        scale(c[0], x[0], z);
        return 0;
    }
    linear_sum(c[0], x[0], c[1], x[1], z); /* z may be x[0], as CVODE has it */
    int v = 2;
    for (; v + 1 < m; v += 2) {
        const sunindextype n = NV_LENGTH_S(z);
        const realtype a = c[v], b = c[v + 1], *p = NV_DATA_S(x[v]), *q = NV_DATA_S(x[v + 1]);
        realtype *out = NV_DATA_S(z);
        EACH out[i] += a * p[i] + b * q[i];
    }
    if (v < m) {
        linear_sum(1.0, z, c[v], x[v], z);
    }
    return 0;
}

void sheet_vector_kernels(N_Vector v)
{
    v->ops->nvlinearsum = linear_sum;
    v->ops->nvconst = set_const;
    v->ops->nvprod = prod;
    v->ops->nvdiv = divide;
    v->ops->nvscale = scale;
    v->ops->nvabs = absolute;
    v->ops->nvinv = invert;
    v->ops->nvaddconst = add_const;
    v->ops->nvdotprod = dot;
    v->ops->nvwrmsnorm = wrms;
    v->ops->nvlinearcombination = combine;
}
