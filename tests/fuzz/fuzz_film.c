/* Any bytes as the film of a run folder and its table: passed over, or frames whose figures can be. The film's length is a
 * line of its own at the top; the first line of the table, which names the scenario, is put in. */
#include "fuzz.h"

#include <math.h>

#include "base/alloc.h"
#include "output/film.h"

static char *make_table(const uint8_t *rows, size_t n)
{
    char *head = NULL;
    thaw_error err = {0};
    demand(thaw_film_table(NULL, 0, "0123456789abcdef", "1", "0", &head, &err) == THAW_OK, "a head can be made", err.text);
    const size_t length = strlen(head);
    char *table = malloc(length + n + 1);
    demand(table != NULL, "memory for the table", NULL);
    memcpy(table, head, length);
    memcpy(table + length, rows, n);
    table[length + n] = '\0';
    thaw_release(head);
    return table;
}

static void check_frames(thaw_page_frame *frames, int n)
{
    demand(n >= 0 && n <= THAW_PAGE_MOST_FRAMES, "frames are within their limit", NULL);
    for (int i = 0; i < n; i++) {
        demand(frames[i].picture.bytes != NULL && frames[i].picture.n > 0, "a frame has a picture", NULL);
        demand(frames[i].picture.width > 0 && frames[i].picture.height > 0, "a picture has a size", NULL);
        demand(isfinite(frames[i].time_s) && frames[i].time_s >= (i > 0 ? frames[i - 1].time_s : 0.0), "times go on", NULL);
        demand(isfinite(frames[i].ice_kg) && frames[i].ice_kg >= 0.0, "ice is a mass", NULL);
        demand(isfinite(frames[i].wet_share) && frames[i].wet_share >= 0.0, "the wet share is one", NULL);
        thaw_release(frames[i].picture.bytes);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char first[16] = "";
    memcpy(first, data, size < sizeof first - 1 ? size : sizeof first - 1);
    const char *end = strchr(first, '\n');
    const long n_webp = strtol(first, NULL, 10);
    const size_t skip = end ? (size_t)(end - first) + 1 : 0;
    if (!end || n_webp < 0 || (size_t)n_webp > size - skip) {
        return 0;
    }
    uint8_t *webp = malloc((size_t)n_webp > 0 ? (size_t)n_webp : 1); /* of its own: reading past its end is seen */
    demand(webp != NULL, "memory for the film", NULL);
    memcpy(webp, data + skip, (size_t)n_webp);
    char *table = make_table(data + skip + n_webp, size - skip - (size_t)n_webp);
    static thaw_page_frame frames[THAW_PAGE_MOST_FRAMES];
    int n = 0;
    thaw_error err = {0};
    demand(thaw_film_read(webp, (size_t)n_webp, table, "0123456789abcdef", "1", "0", frames, &n, &err) == THAW_OK,
           "a spoilt film is no failure", err.text);
    check_frames(frames, n);
    free(table);
    free(webp);
    return 0;
}
