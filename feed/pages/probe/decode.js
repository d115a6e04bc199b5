// Reads the QR code in a picture, in a worker, so that the page goes on taking frames. Uses the browser's own reader
// where it has one, and a library where not; says nothing about what the text means.

const library = () => {
  importScripts("/pages/lib/jsqr/jsQR.js");
  return ({ data, width, height }) => {
    const code = self.jsQR(data, width, height, { inversionAttempts: "dontInvert" });
    return code && code.data;
  };
};

async function reader() {
  try {
    if (!(await BarcodeDetector.getSupportedFormats()).includes("qr_code")) return library();
    const detector = new BarcodeDetector({ formats: ["qr_code"] });
    return async (picture) => {
      const [code] = await detector.detect(picture);
      return code ? code.rawValue : null;
    };
  } catch {
    // There is no such thing here.
    return library();
  }
}

const ready = reader();

// Each `{ pixels, width, height, at }` is answered with `{ text, at }`; `text` is null where no code was read.
self.onmessage = async ({ data: { pixels, width, height, at } }) => {
  let text = null;
  try {
    text = await (await ready)(new ImageData(new Uint8ClampedArray(pixels), width, height));
  } catch {
    // A picture that a reader chokes on is one without a code.
  }
  self.postMessage({ text, at });
};
