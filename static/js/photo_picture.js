// A photo made small on the phone: drawn on a canvas, which carries nothing of the file but what is seen, so no place
// where it was taken. What comes out is a JPEG of at most 2 MB, named by its SHA-256.

const LONGEST_SIDE = 2048;
const MOST_BYTES = 2_000_000; // the server takes no more (walkabout/sync/photographs.py)
const QUALITIES = [0.85, 0.75, 0.6, 0.45, 0.3];
// ISO/IEC 23008-12 (HEIF) and the AV1 image format: "ftyp", then the brand.
const UNREADABLE = /^(heic|heix|hevc|heim|heis|mif1|msf1|avif|avis)$/;

/** Whether this browser can name photos: it does so only over https or on this machine. */
export const canTakePhotos = () => Boolean(globalThis.crypto?.subtle);

/**
 * Make a photo small.
 * @param {Blob} file - as the phone's camera or gallery gave it
 * @returns {Promise<{hash: string, bytes: ArrayBuffer}>}
 * @throws {Error} with the name "heic" or "no-photo" when this browser cannot read it
 */
export async function madeSmall(file) {
  const canvas = await drawn(file);
  for (const quality of QUALITIES) {
    const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", quality));
    if (!blob) break;
    if (blob.size > MOST_BYTES) continue;
    const bytes = await blob.arrayBuffer();
    return { hash: hex(await crypto.subtle.digest("SHA-256", bytes)), bytes };
  }
  throw named("no-photo");
}

async function drawn(file) {
  const address = URL.createObjectURL(file);
  const image = new Image();
  try {
    image.src = address;
    await image.decode().catch(async (error) => {
      throw (await isUnreadable(file)) ? named("heic") : Object.assign(named("no-photo"), { cause: error });
    });
    // Upright already: browsers turn a picture as its file says.
    const share = Math.min(1, LONGEST_SIDE / Math.max(image.naturalWidth, image.naturalHeight));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(image.naturalWidth * share));
    canvas.height = Math.max(1, Math.round(image.naturalHeight * share));
    const pen = canvas.getContext("2d", { alpha: false });
    pen.fillStyle = "white";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.imageSmoothingQuality = "high";
    const bitmap = await scaled(image, canvas);
    pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close?.();
    return canvas;
  } finally {
    URL.revokeObjectURL(address);
    image.removeAttribute("src");
  }
}

/** Scaled beside the page's own work where the browser can; else the picture itself, to be scaled as it is drawn. */
async function scaled(image, { width, height }) {
  try {
    return await createImageBitmap(image, { resizeWidth: width, resizeHeight: height, resizeQuality: "high" });
  } catch {
    return image;
  }
}

async function isUnreadable(file) {
  const head = new TextDecoder("latin1").decode(await file.slice(4, 12).arrayBuffer());
  return head.startsWith("ftyp") && UNREADABLE.test(head.slice(4));
}

const named = (name) => Object.assign(new Error(name), { name });

const hex = (digest) => Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
