#include "quantity.hpp"
