// The curves' library with its style sheet: one chunk that comes after the first view.
import "uplot/dist/uPlot.min.css";

export { default } from "uplot";
