/* Any bytes as a sewing pattern, YAML of one's own or an SVG drawing: faults with a reason, or pieces that can be laid. */
#include "fuzz.h"

#include <math.h>

#include "base/alloc.h"
#include "scenario/pattern_file.h"

static void check_outline(const thaw_polygon *outline, const char *name)
{
    const thaw_extent box = thaw_polygon_extent(outline);
    demand(outline->n >= 3, "a piece has corners", name);
    for (int i = 0; i < outline->n; i++) {
        demand(isfinite(outline->at[i][0]) && isfinite(outline->at[i][1]), "corners are numbers", name);
    }
    demand(fabs(box.x0) < 1e-9 && fabs(box.y0) < 1e-9, "the box of a piece begins at 0, 0", name);
    demand(thaw_polygon_area(outline) > 0.0, "a piece has an area", name);
}

static void check_sheet(const thaw_pattern_sheet *sheet)
{
    demand(sheet->n > 0 && sheet->n <= THAW_MAX_PIECES, "there are pieces", sheet->title);
    for (int i = 0; i < sheet->n; i++) {
        const thaw_pattern_piece *piece = &sheet->pieces[i];
        demand(memchr(piece->name, '\0', sizeof piece->name) != NULL, "the name ends", NULL);
        demand(piece->n_cut > 0 && piece->n_cut <= THAW_MAX_CUTS, "it is cut", piece->name);
        demand(piece->n_wishes >= 0 && piece->n_wishes <= THAW_MAX_WISHES, "wishes are few", piece->name);
        demand(fabs(hypot(piece->down[0], piece->down[1]) - 1.0) < 1e-9, "downward is one long", piece->name);
        check_outline(&piece->outline, piece->name);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = as_text(data, size);
    thaw_error err = {0};
    thaw_pattern_sheet *sheet = calloc(1, sizeof *sheet);
    demand(sheet != NULL, "memory for the sheet", NULL);
    /* The path is that of shipped patterns, so that the shipped drawing can be named. */
    const thaw_status status =
        thaw_pattern_parse(text, size, THAW_SOURCE_DIR "/scenarios/patterns/fuzz.yaml", sheet, &err);
    if (status == THAW_OK) {
        check_sheet(sheet);
    } else {
        demand_reason(status, &err);
        demand(status == THAW_ERR_SCENARIO, "bad bytes are the fault of the file", err.text);
    }
    thaw_pattern_release(sheet);
    free(sheet);
    free(text);
    return 0;
}
