"""The site: fence, runtime packing and publish gate."""
