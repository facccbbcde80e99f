// The page of the shop: its entries save themselves.
import "./elements/typed-form.js";
