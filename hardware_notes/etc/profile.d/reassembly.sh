# For whoever works on the second console: the commands of the program mean the bench's own record.
export REASSEMBLY_DATA=/srv/reassembly/data
