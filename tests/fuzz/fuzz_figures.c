/* Any bytes as figures.json of a run folder: a reason, or figures whose names end. */
#include "fuzz.h"

#include "output/figures_read.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = as_text(data, size);
    thaw_error err = {0};
    thaw_preview_figures figures = {.n_dyes = -1};
    thaw_figures_names names;
    thaw_figures_origin origin = {{0}, {0}, {0}};
    const thaw_status status = thaw_figures_read(text, size, &figures, &names, &origin, &err);
    if (status != THAW_OK) {
        demand_reason(status, &err);
        demand(figures.n_dyes == -1, "outputs are untouched on failure", NULL);
    } else {
        demand(figures.n_dyes >= 0 && figures.n_dyes <= THAW_PREVIEW_MAX_DYES, "dyes are within their limit", NULL);
        demand(memchr(origin.digest, '\0', sizeof origin.digest) != NULL, "the digest ends", NULL);
        for (int i = 0; i < figures.n_dyes; i++) {
            demand(memchr(names.name[i], '\0', sizeof names.name[i]) != NULL, "the name ends", NULL);
        }
    }
    free(text);
    return 0;
}
