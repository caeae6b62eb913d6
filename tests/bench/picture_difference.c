/* picture_difference A.png B.png: mean, 95th percentile and largest CIEDE2000 between two pictures of equal size. */
#include <png.h>
#include <stdio.h>
#include <stdlib.h>

#include "look/colour.h"

typedef struct picture {
    unsigned width, height;
    unsigned char *rgb;
} picture;

static picture read_picture(const char *path)
{
    png_image image = {.version = PNG_IMAGE_VERSION};
    if (!png_image_begin_read_from_file(&image, path)) {
        fprintf(stderr, "picture_difference: %s: %s\n", path, image.message);
        exit(1);
    }
    image.format = PNG_FORMAT_RGB;
    picture p = {image.width, image.height, malloc(PNG_IMAGE_SIZE(image))};
    if (!p.rgb || !png_image_finish_read(&image, NULL, p.rgb, 0, NULL)) {
        fprintf(stderr, "picture_difference: %s: %s\n", path, image.message);
        exit(1);
    }
    return p;
}

static void to_lab(const unsigned char *rgb, double lab[3])
{
    double linear[3], xyz[3];
    for (int c = 0; c < 3; c++) {
        linear[c] = thaw_colour_decode(rgb[c] / 255.0);
    }
    thaw_colour_xyz(linear, xyz);
    thaw_colour_lab(xyz, lab);
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: picture_difference A.png B.png\n");
        return 2;
    }
    picture a = read_picture(argv[1]), b = read_picture(argv[2]);
    if (a.width != b.width || a.height != b.height) {
        fprintf(stderr, "picture_difference: sizes differ\n");
        return 1;
    }
    const size_t n = (size_t)a.width * a.height;
    double *d = malloc(n * sizeof *d), sum = 0.0;
    for (size_t k = 0; d && k < n; k++) {
        double la[3], lb[3];
        to_lab(a.rgb + 3 * k, la);
        to_lab(b.rgb + 3 * k, lb);
        sum += d[k] = thaw_colour_difference(la, lb);
    }
    qsort(d, n, sizeof *d, by_size);
    printf("CIEDE2000 mean %.3f, 95 %% below %.3f, largest %.3f\n", sum / (double)n, d[n * 95 / 100], d[n - 1]);
    free(d);
    free(a.rgb);
    free(b.rgb);
    return 0;
}
