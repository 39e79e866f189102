// A photo made fit to send: at most 1800 pixels, JPEG, without what the camera wrote into it (place and time).

const LONGEST_SIDE = 1800;
const LARGEST = 8 * 1024 * 1024;

export async function fit(file) {
  const smaller = await redraw(file).catch(() => null);
  const blob = smaller || file;
  if (blob.size > LARGEST) return null;
  return { content: await base64(blob), address: URL.createObjectURL(blob) };
}

async function redraw(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85));
}

function base64(blob) {
  return new Promise((done, failed) => {
    const reader = new FileReader();
    reader.onload = () => done(String(reader.result).split(",", 2)[1] || "");
    reader.onerror = () => failed(reader.error);
    reader.readAsDataURL(blob);
  });
}
