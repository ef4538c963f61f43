"use strict";
// The page of several runs side by side.
function comparison() {
}
