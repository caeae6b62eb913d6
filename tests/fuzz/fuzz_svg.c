/* Any bytes as an SVG drawing of pattern pieces: faults, or outlines of numbers. Pieces are made of them in fuzz_pattern. */
#include "fuzz.h"

#include <math.h>

#include "base/alloc.h"
#include "scenario/svg.h"

static void check_shape(const thaw_drawn *shape)
{
    demand(memchr(shape->name, '\0', sizeof shape->name) != NULL, "the name ends", NULL);
    demand(shape->outline.n >= 3, "a shape has corners", shape->name);
    for (int k = 0; k < shape->outline.n; k++) {
        demand(isfinite(shape->outline.at[k][0]) && isfinite(shape->outline.at[k][1]), "corners are numbers", shape->name);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = as_text(data, size);
    thaw_error err = {0};
    thaw_faults *faults = NULL;
    thaw_drawing *drawing = calloc(1, sizeof *drawing);
    demand(drawing != NULL, "memory for the drawing", NULL);
    demand(thaw_faults_create("fuzz.svg", text, size, &faults, &err) == THAW_OK, "faults can be kept", err.text);
    demand(thaw_svg_read(text, size, faults, drawing, &err) == THAW_OK, "only memory can fail", err.text);
    if (thaw_faults_count(faults) == 0) {
        demand(drawing->n >= 0 && drawing->n <= THAW_MAX_DRAWN, "shapes are within their limit", NULL);
        for (int i = 0; i < drawing->n; i++) {
            check_shape(&drawing->shapes[i]);
        }
    } else {
        demand_reason(thaw_faults_report(faults, &err), &err);
    }
    thaw_faults_destroy(faults);
    thaw_drawing_release(drawing);
    free(drawing);
    free(text);
    return 0;
}
