#include "output/webp.h"

#include <string.h>

#include <webp/decode.h>
#include <webp/encode.h>
#include <webp/mux.h>

#include "base/alloc.h"
#include "base/bytes.h"
#include "base/error.h"

#define EFFORT 4                   /* 0 fast .. 6 small */

/* Memory of our own: libwebp's is freed by its own call. */
static thaw_status keep(const unsigned char *from, size_t size, unsigned char **bytes, size_t *n, thaw_error *err)
{
    unsigned char *copy = thaw_allocate(size, 1, err);
    if (!copy) {
        return THAW_ERR_MEMORY;
    }
    memcpy(copy, from, size);
    *bytes = copy;
    *n = size;
    return THAW_OK;
}

typedef struct sink {
    thaw_bytes file;               /* own until handed over */
    thaw_error *err;
} sink;

static int on_write(const uint8_t *data, size_t size, const WebPPicture *picture)
{
    sink *s = picture->custom_ptr;
    return thaw_bytes_append(&s->file, data, size, s->err);
}

static thaw_status no_memory(thaw_error *err)
{
    return thaw_fail(err, THAW_ERR_MEMORY, "a picture could not be packed as WebP: not enough memory");
}

thaw_status thaw_webp_encode(const thaw_image *image, int quality, unsigned char **bytes, size_t *n, thaw_error *err)
{
    WebPConfig config;
    WebPPicture picture;
    sink s = {.err = err};
    if (image->width < 1 || image->height < 1 || image->width > THAW_WEBP_MOST || image->height > THAW_WEBP_MOST ||
        quality < 0 || quality > THAW_WEBP_LOSSLESS) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "a WebP picture has 1 to %d pixels along each side", THAW_WEBP_MOST);
    }
    if (!WebPConfigInit(&config) || !WebPPictureInit(&picture)) {
        return thaw_fail(err, THAW_ERR_MEMORY, "libwebp is of another version than it was built for");
    }
    config.lossless = quality == THAW_WEBP_LOSSLESS;
    config.quality = config.lossless ? 70.0f : (float)quality; /* of lossless: effort */
    config.method = EFFORT;
    picture.use_argb = config.lossless;
    picture.width = image->width;
    picture.height = image->height;
    picture.writer = on_write;
    picture.custom_ptr = &s;
    const int done = WebPPictureImportRGB(&picture, image->rgb, 3 * image->width) && WebPEncode(&config, &picture);
    WebPPictureFree(&picture);
    if (!done) {
        thaw_release(s.file.bytes);
        return no_memory(err);
    }
    *bytes = s.file.bytes;
    *n = s.file.n;
    return THAW_OK;
}

static bool add_still(WebPMux *mux, const thaw_webp_still *still)
{
    WebPMuxFrameInfo frame;
    memset(&frame, 0, sizeof frame);
    frame.bitstream.bytes = still->bytes;
    frame.bitstream.size = still->n;
    frame.id = WEBP_CHUNK_ANMF;
    frame.duration = still->show_ms;
    frame.dispose_method = WEBP_MUX_DISPOSE_NONE;
    frame.blend_method = WEBP_MUX_NO_BLEND;
    return WebPMuxPushFrame(mux, &frame, 0) == WEBP_MUX_OK;
}

thaw_status thaw_webp_animate(const thaw_webp_still *stills, int n_stills, unsigned char **bytes, size_t *n, thaw_error *err)
{
    const WebPMuxAnimParams params = {.bgcolor = 0xffffffffu, .loop_count = 0};
    WebPMux *mux = WebPMuxNew();
    WebPData file = {NULL, 0};
    bool done = mux != NULL;
    for (int i = 0; done && i < n_stills; i++) {
        done = add_still(mux, &stills[i]);
    }
    done = done && WebPMuxSetAnimationParams(mux, &params) == WEBP_MUX_OK && WebPMuxAssemble(mux, &file) == WEBP_MUX_OK;
    thaw_status status = done ? keep(file.bytes, file.size, bytes, n, err) : no_memory(err);
    WebPDataClear(&file);
    WebPMuxDelete(mux);
    return status;
}

int thaw_webp_count(const unsigned char *file, size_t n_file)
{
    const WebPData data = {file, n_file};
    WebPMux *mux = WebPMuxCreate(&data, 0);
    int n = 0;
    if (!mux || WebPMuxNumChunks(mux, WEBP_CHUNK_ANMF, &n) != WEBP_MUX_OK) {
        n = 0;
    }
    WebPMuxDelete(mux);
    return n;
}

thaw_status thaw_webp_still_at(const unsigned char *file, size_t n_file, int i, unsigned char **bytes, size_t *n,
                               int *width, int *height, thaw_error *err)
{
    const WebPData data = {file, n_file};
    WebPMuxFrameInfo frame;
    memset(&frame, 0, sizeof frame);
    WebPMux *mux = WebPMuxCreate(&data, 0);
    int w = 0, h = 0;
    const bool found = mux && WebPMuxGetFrame(mux, (uint32_t)i + 1, &frame) == WEBP_MUX_OK &&
                       WebPGetInfo(frame.bitstream.bytes, frame.bitstream.size, &w, &h);
    thaw_status status = found ? keep(frame.bitstream.bytes, frame.bitstream.size, bytes, n, err)
                               : thaw_fail(err, THAW_ERR_FILE, "frame %d of the animated picture cannot be read", i + 1);
    if (status == THAW_OK) {
        *width = w;
        *height = h;
    }
    WebPDataClear(&frame.bitstream);
    WebPMuxDelete(mux);
    return status;
}
