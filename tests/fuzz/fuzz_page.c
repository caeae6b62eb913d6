/* Any bytes as a notebook page whose files are taken out: a reason, or plain names, each once. */
#include "fuzz.h"

#include "output/page.h"

static void check_names(const thaw_taken *taken)
{
    demand(taken->n > 0 && taken->n <= THAW_PAGE_MOST_FILES, "files are within their limit", NULL);
    for (int i = 0; i < taken->n; i++) {
        const char *name = taken->files[i].name;
        demand(memchr(name, '\0', sizeof taken->files[i].name) != NULL, "the name ends", NULL);
        demand(name[0] != '\0' && name[0] != '.' && !strpbrk(name, "/\\"), "the name is that of a plain file", name);
        for (int k = 0; k < i; k++) {
            demand(strcmp(name, taken->files[k].name) != 0, "no name is there twice", name);
        }
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *html = as_text(data, size);
    thaw_error err = {0};
    thaw_taken *taken = calloc(1, sizeof *taken);
    demand(taken != NULL, "memory for the files", NULL);
    const thaw_status status = thaw_page_take(html, size, taken, &err);
    if (status == THAW_OK) {
        check_names(taken);
    } else {
        demand_reason(status, &err);
    }
    thaw_taken_release(taken);
    free(taken);
    free(html);
    return 0;
}
