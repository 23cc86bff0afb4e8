mod plumb;
mod square;
