// The feed's first page: what there is. Its words are in the HTML in English, and here in the device's language.

import { load } from "./common/words.js";

load("index");
